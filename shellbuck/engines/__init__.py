"""The engines: closed form, Rayleigh-Ritz and the shell mesh, strangers to each other; meshes and the eigensolver."""
