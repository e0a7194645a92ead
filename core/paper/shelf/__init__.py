"""The shelf on paper: cards, labels, track sheets, loose sheets, songs and their parts."""
