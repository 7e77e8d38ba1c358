"""Speed and memory, as ratios to floors measured in the same run; nothing passes or fails."""
