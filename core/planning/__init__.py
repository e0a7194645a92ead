"""Planning the evenings: what to do when, how good that is, and why not more."""
