"""Files that come in: text and spreadsheets as rows, what their headers tell, and what is said of them."""
