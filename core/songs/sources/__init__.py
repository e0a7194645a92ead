"""Which track is used for a recording: what sheets tell, weighed, chosen, and why."""
