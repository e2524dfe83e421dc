"""One case of many, in a process of its own or on a cluster."""
