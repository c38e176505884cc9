"""A library to pages: words to HTML, views to templates, sheets and scripts beside them."""
