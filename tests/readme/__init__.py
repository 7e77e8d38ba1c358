"""The commands that README.md and DEVELOPERS.md show."""
