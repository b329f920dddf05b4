"""From a photo of cloth to its CIE lightness, its group and the contrast between groups."""
