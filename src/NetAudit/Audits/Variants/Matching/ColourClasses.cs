namespace NetAudit.Audits.Variants.Matching;

/// <summary>Vertices of one colour in both circuits.</summary>
internal static class ColourClasses
{
    /// <summary>Classes that have members in both circuits, smallest first.</summary>
    public static List<(int[] First, int[] Second)> Of(
        ReadOnlySpan<ulong> first,
        ReadOnlySpan<ulong> second
    )
    {
        var classes = new Dictionary<ulong, (List<int> First, List<int> Second)>();
        for (var vertex = 0; vertex < first.Length; vertex++)
        {
            if (!classes.TryGetValue(first[vertex], out var members))
            {
                classes.Add(first[vertex], members = ([], []));
            }
            members.First.Add(vertex);
        }
        for (var vertex = 0; vertex < second.Length; vertex++)
        {
            if (classes.TryGetValue(second[vertex], out var members))
            {
                members.Second.Add(vertex);
            }
        }
        return
        [
            .. classes
                .Values.Where(members => members.Second.Count > 0)
                .OrderBy(members => members.First.Count + members.Second.Count)
                .ThenBy(members => members.First[0])
                .Select(members => (members.First.ToArray(), members.Second.ToArray())),
        ];
    }
}
