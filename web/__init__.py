"""Pages for people. No tables and no rules: the same services and selectors as the interface."""
