"""One module per kind of thing to do; each says what is shown and what Enter does."""
