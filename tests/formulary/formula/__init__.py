"""What a formula says, and how it is read and written."""
