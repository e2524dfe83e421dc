"""The shape of a roof plane: edges, pieces of panels between seams, distances on the slope."""
