// Package profiles says what is known of each species, and from which source.
package profiles
