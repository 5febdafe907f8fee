"""What is handed over: the client's document as PDF and as a page, the painter's schedule, swatches for other programs."""
