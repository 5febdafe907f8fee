"""What leaves the program: result.json, the page a client reads, and every sentence in them."""
