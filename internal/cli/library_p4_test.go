package cli

// The procedures for what stands in a pipe.
func init() {
	library = append(library,
		libraryRow{"clean-strainer", "S-951"},
		libraryRow{"remake-flanged-joint", "S-951"},
		libraryRow{"bench-set-relief-valve", "RV-952"},
	)
}
