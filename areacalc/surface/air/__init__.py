"""air: what hanging does: trapped air, carried liquid, the liquid line, the best direction."""
