package main

// shellScripts are the scripts, by shell. Each hands over the words up to the cursor and shows what comes back.
var shellScripts = map[string]string{
	// bash splits words at = as well, so they are joined again before they are handed over, and what is shown for
	// --format=c is the part behind the =.
	"bash": `# treewhen's completion for bash
_treewhen() {
    local cur line word kind="" i tab=$'\t'
    local -a words=()
    for ((i = 1; i <= COMP_CWORD; i++)); do
        word=${COMP_WORDS[i]}
        if [[ ${#words[@]} -gt 0 && $word == "=" && ${words[${#words[@]}-1]} == --* ]]; then
            words[${#words[@]}-1]+="="
        elif [[ ${#words[@]} -gt 0 && ${words[${#words[@]}-1]} == --*= && ${COMP_WORDS[i-1]} == "=" ]]; then
            words[${#words[@]}-1]+=$word
        else
            words+=("$word")
        fi
    done
    cur=${COMP_WORDS[COMP_CWORD]}
    [[ $cur == "=" ]] && cur=""
    COMPREPLY=()
    while IFS= read -r line; do
        case $line in
            :files) kind=f ;;
            :folders) kind=d ;;
            *)
                word=${line%%"$tab"*}
                [[ $word == --*=* && ${COMP_WORDS[COMP_CWORD]} != --*=* ]] && word=${word#*=}
                COMPREPLY+=("$word")
                ;;
        esac
    done < <("${COMP_WORDS[0]}" completion --answer -- "${words[@]}" 2>/dev/null)
    if [[ -n $kind ]]; then
        compopt -o filenames 2>/dev/null
        while IFS= read -r line; do COMPREPLY+=("$line"); done < <(compgen -"$kind" -- "$cur")
    fi
}
complete -F _treewhen treewhen
`,
	"zsh": `#compdef treewhen
# treewhen's completion for zsh
_treewhen() {
    local line
    local -a list
    for line in ${(f)"$(${words[1]} completion --answer -- "${(@)words[2,CURRENT]}" 2>/dev/null)"}; do
        case $line in
            :files) _files ;;
            :folders) _files -/ ;;
            *) list+=("${${line%%$'\t'*}//:/\\:}:${line#*$'\t'}") ;;
        esac
    done
    if (( $#list )); then _describe -t words 'treewhen' list; fi
}
compdef _treewhen treewhen
`,
	"fish": `# treewhen's completion for fish
function __treewhen_candidates
    set -l words (commandline -opc) (commandline -ct)
    for line in ($words[1] completion --answer -- $words[2..-1] 2>/dev/null)
        switch $line
            case ':files'
                __fish_complete_path (commandline -ct)
            case ':folders'
                __fish_complete_directories (commandline -ct)
            case '*'
                echo $line
        end
    end
end
complete -c treewhen -f -a '(__treewhen_candidates)'
`,
}
