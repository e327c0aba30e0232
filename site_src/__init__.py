"""What turns the handbook's pages and the calculator core into a static site."""
