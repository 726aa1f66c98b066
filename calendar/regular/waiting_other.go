//go:build !unix

package regular

// withoutWaiting is nothing where a name in a folder is never a pipe.
const withoutWaiting = 0
