"""Pictures: what to draw as data, the printed picture, and the board."""
