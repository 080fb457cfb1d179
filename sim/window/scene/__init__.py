"""The room and the aircraft in three dimensions: cameras, meshes, light, baking; numpy only."""
