//go:build unix

package regular

import "syscall"

// withoutWaiting has a named pipe open at once, with or without a writer: POSIX.1-2017, open, O_NONBLOCK.
const withoutWaiting = syscall.O_NONBLOCK
