"""Published errors committed on purpose: each is stopped, or there is no way to do it."""
