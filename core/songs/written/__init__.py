"""What track sheets write, read: parts and takes by name, copies, dates, and a clock's speed."""
