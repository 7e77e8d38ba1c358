"""What a person does, on a store."""
