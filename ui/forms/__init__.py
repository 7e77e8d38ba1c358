"""Forms made from tables of fields: what every editor of the window shares."""
