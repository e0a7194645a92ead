"""What every sheet is made of: page, text, tables, words, pictures, cautions."""
