"""The weather a leaf meets in its bed: sun, sky, wind, leaf temperature and the water on each face."""
