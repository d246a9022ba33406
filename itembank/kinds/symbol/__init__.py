"""The symbols of Legendre, Jacobi and Kronecker."""
