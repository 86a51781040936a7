"""The lessons: one file each, with its scenes and exercises; the notebooks show them."""
