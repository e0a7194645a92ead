"""What every place has: head, foot, lists, pages, help, the bell."""
