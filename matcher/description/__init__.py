"""One colour in words and numbers, several side by side, and what stands round a paint: neighbours in its deck and in
others, quiet partners, and what the surfaces of a room do to the look of it.
"""
