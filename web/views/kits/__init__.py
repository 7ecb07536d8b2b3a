"""Pages of kits: the list, the kit itself, its contents, wiring, findings, drafts and what it is for."""
