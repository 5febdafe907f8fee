"""What is handed over: the client's document, the painter's schedule, swatches for other programs."""
