"""The room's own light: through a day by its window and by its lamps, and what colours look like in it."""
