# Completion for bash: the command itself says what may follow. Source it from ~/.bashrc.
_netaudit() {
    local words
    words=$(netaudit "[suggest:${COMP_POINT}]" "${COMP_LINE}" 2> /dev/null)
    mapfile -t COMPREPLY < <(compgen -W "${words}" -- "${COMP_WORDS[COMP_CWORD]}")
}
complete -o default -F _netaudit netaudit
