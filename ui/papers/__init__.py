"""Papers on their way out: asked where to, drawn on the worker, printed or written to a file."""
