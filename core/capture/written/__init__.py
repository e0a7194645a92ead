"""What is written of captures: sound files beside their place first, hashed, and captures turned round."""
