package wear

import (
	"errors"

	"jobsheaf/internal/quantity"
)

// The guards of limits that are no lengths: a temperature, a resistance, a count. The
// amounts are SI ones of one kind, U is a difference of two such. Source and formula
// are those of GuardLow and its neighbours.

// errUncertainty refuses an uncertainty that is none.
var errUncertainty = errors.New("uncertainty out of range: want more than zero")

// raised gives limit + U. Range: U above zero.
func raised(limit, u quantity.Number) (quantity.Number, error) {
	if !(u > 0) {
		return 0, errUncertainty
	}
	return limit + u, nil
}

// lowered gives limit − U. Range: as raised.
func lowered(limit, u quantity.Number) (quantity.Number, error) {
	if !(u > 0) {
		return 0, errUncertainty
	}
	return limit - u, nil
}

// bandLow gives low + U. Range: twice U below the width of the band, else the instrument is unfit.
func bandLow(low, high, u quantity.Number) (quantity.Number, error) {
	if err := openBand(low, high, u); err != nil {
		return 0, err
	}
	return low + u, nil
}

// bandHigh gives high − U. Range: as bandLow.
func bandHigh(low, high, u quantity.Number) (quantity.Number, error) {
	if err := openBand(low, high, u); err != nil {
		return 0, err
	}
	return high - u, nil
}

func openBand(low, high, u quantity.Number) error {
	switch {
	case !(u > 0):
		return errUncertainty
	case 2*u*(1+1e-6) >= high-low: // a millionth of U absorbs the error of binary arithmetic
		return errors.New("instrument unfit: twice its uncertainty closes the band between the limits")
	}
	return nil
}
