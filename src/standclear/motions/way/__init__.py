"""From programmed moves to rows: straight moves, arcs, corners, the path of the nose."""
