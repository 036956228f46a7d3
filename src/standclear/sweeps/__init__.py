"""motions -> sweeps: the section that each motion cuts, and the section it must find empty."""
