"""Tables: what every choice for a plane does to everything on it, and each plane's best."""
