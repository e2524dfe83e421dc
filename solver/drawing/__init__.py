"""Where everything on a plane stands, once for every picture of it."""
