"""Speed and memory, each as a ratio to a floor measured in the same run; nothing passes or fails."""
