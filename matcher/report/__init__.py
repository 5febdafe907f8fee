"""What leaves the program: result.json, what a page shows of it, and every sentence."""
