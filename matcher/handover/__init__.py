"""What is handed over: the client's document as a PDF and a page, the painter's schedule, swatches for other programs."""
