"""A profile drawn elsewhere: out of a DXF file into the outline of the part."""
