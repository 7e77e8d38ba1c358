"""What a person does, one verb per file, for the window and the command line alike."""
