"""A rig as calculation sees it: its contents and brief, the graph of its wiring, and what is worked out from them.

Nothing here judges: a check of ``calc.checks`` compares these answers with a limit, and a page or a drawing shows them.
"""
