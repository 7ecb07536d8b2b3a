"""One module for each figure: the dataclass that its template draws, and how it is made from what selectors show."""
