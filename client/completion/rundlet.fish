# Completion of rundlet for fish. What there is to write, rundlet itself knows.
function __rundlet_complete
    set -l words (commandline --tokenize --cut-at-cursor --current-process)
    set -l begun (commandline --cut-at-cursor --current-token)
    # Without quotes; an open one cannot be taken off by fish.
    set -l plain (string unescape -- "$begun")[1]
    test -n "$plain"; or set plain (string trim --left --chars '\'"' -- "$begun")
    for line in (command $words[1] complete fish -- $words[2..-1] "$plain" 2>/dev/null)
        switch $line
            case :files
                __fish_complete_path $begun
            case :directories
                __fish_complete_directories $begun
            case '*'
                printf '%s\n' $line
        end
    end
end
complete --command rundlet --no-files --arguments '(__rundlet_complete)'
