"""The picture: pitch, players, formations, scenes and their files."""
