"""bath: electrolyte, film growth, voltage, alloy, etch, dye and seal. Numbers in, numbers out; no geometry."""
