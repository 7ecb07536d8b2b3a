"""One module per page: what it asks of the selectors, what it lets a form do, and the view-model of its template."""
