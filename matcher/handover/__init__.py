"""What is handed over: the client's document (PDF and page), the painter's schedule, swatches for other programs."""
