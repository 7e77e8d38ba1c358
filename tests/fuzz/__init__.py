"""Files from nobody knows where: whatever they hold, a sentence is the worst that comes of them."""
