using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>Gathers stresses that change with time, moment by moment. Not thread-safe.</summary>
/// <param name="plan">What is read.</param>
internal sealed class StressRecord(StressPlan plan)
{
    private readonly double[] _now = new double[plan.Points.Length];
    private readonly double[] _sum = new double[plan.Points.Length];
    private readonly double[] _squares = new double[plan.Points.Length];
    private readonly double[] _peak = new double[plan.Points.Length];
    private int _moments;

    /// <summary>Takes a moment; for means they have to follow at equal distances over whole periods.</summary>
    public void Note(Workspace workspace)
    {
        plan.Read(workspace, _now);
        _moments++;
        for (var i = 0; i < _now.Length; i++)
        {
            _sum[i] += _now[i];
            _squares[i] += _now[i] * _now[i];
            _peak[i] = Math.Max(_peak[i], _now[i]);
        }
    }

    /// <summary>What counts of each stress over all moments.</summary>
    public double[] Values() =>
        [
            .. plan.Points.Select(
                (point, i) =>
                    point.Item.Kind.Measure() switch
                    {
                        StressMeasure.Mean => _sum[i] / _moments,
                        StressMeasure.Rms => Math.Sqrt(_squares[i] / _moments),
                        _ => _peak[i],
                    }
            ),
        ];
}
