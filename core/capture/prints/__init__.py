"""Print-through: what one turn of the pack left on those beside it, heard before the sound itself begins."""
