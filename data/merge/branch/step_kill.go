//go:build unix && kill

package branch

import (
	"fmt"
	"os"
	"syscall"
)

// step ends the program, as a power cut would, at the step that the environment
// names, or lists the steps it comes by.
func step(name string) {
	switch os.Getenv("KILL_AT") {
	case "nowhere":
		fmt.Println(name)
	case name:
		syscall.Kill(os.Getpid(), syscall.SIGKILL)
		select {}
	}
}
