"""What can be taken and dragged on the drawings, one module for each part of a pit."""
