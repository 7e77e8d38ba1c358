"""The page that lists what was started and labelled."""
