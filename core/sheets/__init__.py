"""Papers: what sounds on a tape without a sheet, loose sheets, and which belongs to which."""
