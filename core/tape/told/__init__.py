"""What is told of the tables: the words of the trade, which figures each place shows."""
