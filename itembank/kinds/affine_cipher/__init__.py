"""The affine cipher: encrypting and decrypting a block, and the key from two known blocks."""
