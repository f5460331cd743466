"""plant: the equipment: cathodes, supply, tank, cooling, rack, air. Takes areas and currents as numbers."""
