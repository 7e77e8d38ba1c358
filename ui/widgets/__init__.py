"""Parts that pages are built from; none of them knows a page."""
