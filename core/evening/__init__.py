"""What happens at the machine, as pure acts: a shelf goes in, a shelf comes out."""
