"""One colour in words and numbers, several side by side, and the lookalikes of a paint in its deck."""
