"""Drawings of a kit: the panel as it looks, the wiring as it runs.

Pure: from a wired kit of ``calc`` to the text of an SVG, the same for a page and for a program that asks for the file.

| module | what |
| --- | --- |
| ``svg.py`` | writes elements; whatever people typed is escaped here and nowhere else |
| ``symbols.py`` | the sprite, and which symbol shows which half of a connector |
| ``tape.py`` | the colours that people give their leads (IEC 60757) |
| ``holes.py`` | the holes of a panel: numbered, with what goes in |
| ``panel.py`` | draws the face |
| ``graph.py``, ``layout.py``, ``wiring.py`` | the wiring as boxes with ports; their places; the drawing |
"""
