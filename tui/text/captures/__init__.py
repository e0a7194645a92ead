"""What captures told, in lines."""
