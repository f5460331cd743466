"""features: bores, pockets and grooves found in triangles, with their true areas."""
